"""The verbs of the command line, one file each: `add(verbs)` names arguments, `run(args)` gives a code."""
