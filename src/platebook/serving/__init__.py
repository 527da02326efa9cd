"""The app in a browser on the same machine: one page, one process of the app for each visit."""
