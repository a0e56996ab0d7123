"""How slings connect hook and load; the one bridge from lift and slings to a hang problem."""

from slingwright.arrangement.model import Arrangement, Holding, Round

__all__ = ["Arrangement", "Holding", "Round"]
