"""The screens; each is handed the session it calls use cases through, and none knows another."""
