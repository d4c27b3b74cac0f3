"""Readings of what sits in the sockets: currents and volts at idle, and what follows from them."""
