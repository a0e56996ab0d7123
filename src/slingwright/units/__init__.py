"""Units at the border: people's words in, SI floats inside, people's words out."""
