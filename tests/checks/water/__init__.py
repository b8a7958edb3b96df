"""Tests of the rules of the water."""
