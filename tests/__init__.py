"""Tests of Rillwright; `python3 -m tests` runs them all."""
