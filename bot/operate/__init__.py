"""Settings, clock, database, backup and health, for whoever runs the service.

No conversation enters.
"""
