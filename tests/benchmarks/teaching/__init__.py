"""Teaches the phone reader's network to hear in a loud room: what it is taught with, the network, and the lessons."""
