"""What a sling costs, in whole minor units."""
