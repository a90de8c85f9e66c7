"""An invented club with a year of records, to try the program on; nothing in it is real."""
