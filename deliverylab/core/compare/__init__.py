"""Two deliveries side by side: time alignment, differences, ranking."""
