"""What moves the model: linkages, throws, mixing, hinge moments and the check at the field."""
