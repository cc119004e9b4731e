"""The lesson screen: session, panels, trace, controls, keys."""
