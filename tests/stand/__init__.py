"""Tests of the stand's computations."""
