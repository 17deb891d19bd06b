"""Put record and engines together: plans, advice, who is due."""
