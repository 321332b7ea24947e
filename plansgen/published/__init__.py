"""Checks from outside: published values beside what this package works out for the same case.

One module for each subject; ``table.cases`` puts them together. Tests and the site's page of
methods read the same cases.
"""
