"""Checks: one small rule per function; each returns findings with computed remedies."""
