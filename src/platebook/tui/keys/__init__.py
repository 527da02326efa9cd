"""The one table of what keys do, in two rooms, and what a command of it is."""
