"""Lets `python -m breakdesk` do what the console script does."""

from breakdesk.cli import main

if __name__ == "__main__":
    main()
