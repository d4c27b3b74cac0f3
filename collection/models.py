"""Every model of the domain, imported where Django looks for them."""
