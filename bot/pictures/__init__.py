"""Pictures: a drawing model of boxes, texts and marks, and what draws it without a display."""
