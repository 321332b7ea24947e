"""What drives it: motor, battery, propeller, wires."""
