"""Past one club and one machine: tallies without names, counted part by part, here or on many machines."""
