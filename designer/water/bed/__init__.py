"""The bed's water: from a laid-out design to SI problems, and the answers back in L/h and mm."""
