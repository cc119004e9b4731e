"""The three filters: geometry, ports and named parts."""
