"""Who goes together: the best parting of each colour's film into panels, with its cut tree as the proof."""
