"""The desk: the pages where a lift becomes a sling, and the API behind them."""
