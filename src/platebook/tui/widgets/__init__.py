"""The parts that screens are made of; each is bound to frozen values and posts messages."""
