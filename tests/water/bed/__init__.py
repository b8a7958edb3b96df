"""Tests of the bed's water: from the design to flows, depths and volumes."""
