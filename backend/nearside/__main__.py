"""`python -m nearside` is the command `nearside`."""

from nearside.cli import main

raise SystemExit(main())
