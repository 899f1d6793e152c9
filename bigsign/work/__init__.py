"""How the hands go about it: the order of work and its steps."""
