"""Air loads: atmosphere, sections in theory, vortex lattice, derivatives, bodies."""
