"""`python -m sim` is `glasscan`."""

from sim.cli import main

raise SystemExit(main())
