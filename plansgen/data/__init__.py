"""Tables that say where each value comes from; read through :mod:`plansgen.library.tables`."""
