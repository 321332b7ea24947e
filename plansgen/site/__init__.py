"""From dossier and templates to a docs tree, and from there to a published site."""
