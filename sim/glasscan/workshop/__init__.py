"""Strip-down, cut-open inspection, debris and procedures."""
