"""``python -m plansgen``."""

from plansgen.cli import main

main(prog_name="plansgen")
