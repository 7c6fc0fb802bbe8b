"""Tests; a package so that two modules of one name can live in different folders."""
