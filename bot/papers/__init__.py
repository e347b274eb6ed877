"""Files made when they are sent: labels, reports, calendars, exports."""
