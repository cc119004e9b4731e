"""One page of pictures: how far the numbers can be trusted."""
