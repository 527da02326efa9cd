"""What comes in and goes out by screen: a folder that is shared, a sheet of attempts."""
