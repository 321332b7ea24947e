"""Plan-set sites for homebuilt radio-control model aeroplanes."""

__version__ = "0.1.0"
