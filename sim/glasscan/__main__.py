"""`python -m glasscan` is `glasscan`."""

from glasscan.cli.main import main

raise SystemExit(main())
