"""Rillwright: a designer for recirculating bucket beds."""

__version__ = "0.1.0"
