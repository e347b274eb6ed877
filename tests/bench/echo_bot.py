"""The least a bot on the same library can do: say every text again, updates handled concurrently.

`python -m tests.bench.echo_bot`, token and address of the API by environment as for `serve`.
"""

from __future__ import annotations

import os

from telegram import Update
from telegram.ext import Application, ContextTypes, MessageHandler, filters


async def echo(update: Update, context: ContextTypes.DEFAULT_TYPE) -> None:
    """Say the text again."""
    if update.message is not None and update.message.text is not None:
        await update.message.reply_text(update.message.text)


def main() -> None:
    """Poll until told to stop."""
    url = os.environ["TELEGRAM_API_URL"]
    application = (
        Application.builder()
        .token(os.environ["TELEGRAM_BOT_TOKEN"])
        .base_url(f"{url}/bot")
        .concurrent_updates(True)
        .build()
    )
    application.add_handler(MessageHandler(filters.TEXT, echo))
    application.run_polling()


if __name__ == "__main__":
    main()
