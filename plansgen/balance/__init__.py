"""Masses, where they are, where the whole balances, and what to move."""
