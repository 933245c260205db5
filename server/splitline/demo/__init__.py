"""An invented club and its stations, for looking around."""
