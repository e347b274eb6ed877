"""What the handlers answer: frozen values by subject, never phrases.

`bot/wording/<subject>.py` words the replies of `core/replies/<subject>.py`.
"""
