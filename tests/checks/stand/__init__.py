"""Tests of the stand's rules."""
