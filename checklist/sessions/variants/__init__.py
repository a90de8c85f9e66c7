"""A station tried otherwise: variants kept beside the station as it is."""
