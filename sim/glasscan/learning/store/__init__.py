"""Results on this computer: people by nickname, sittings, answers, marks, review cards; no network."""
