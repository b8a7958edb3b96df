"""Speed, as ratios within one run. `python3 -m tests bench [NAME ...]`; nothing here can fail."""
