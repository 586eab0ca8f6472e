"""`python -m fieldapp` is the `fieldapp` command."""

from fieldapp.cli import main

main()
