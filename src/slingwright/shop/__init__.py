"""What a shop can build, has on the shelf and knows of its webbing."""
