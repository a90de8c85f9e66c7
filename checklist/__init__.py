"""standclear: safety checks for an amateur-radio station, walked, computed and signed."""

__version__ = "0.2.0"
