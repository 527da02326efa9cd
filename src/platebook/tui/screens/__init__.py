"""The screens; each is handed the services it calls, and none knows another."""
