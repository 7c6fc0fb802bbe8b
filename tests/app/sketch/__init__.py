"""Tests of the sketch canvas, with real events on real documents."""
