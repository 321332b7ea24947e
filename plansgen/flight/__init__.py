"""Air loads: sections in theory, vortex lattice, derivatives, bodies."""
