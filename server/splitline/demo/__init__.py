"""An invented club and its stations, for whoever wants to look around."""
