"""From a sling specification to pattern, bill of material and cut plan."""
