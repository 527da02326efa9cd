"""The Textual app: screens that own frozen values, call use cases in workers and post messages."""
