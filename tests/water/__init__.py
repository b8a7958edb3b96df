"""Tests of the water computations."""
