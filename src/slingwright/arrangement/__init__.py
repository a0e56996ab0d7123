"""How slings connect hook and load; the one bridge from lift and slings to a hang problem."""
