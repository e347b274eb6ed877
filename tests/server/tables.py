"""What each supported method and object may carry, as the server enforces it.

One entry a line: name, then `parameter:type` for required and `parameter?:type` for optional
ones; `|` separates allowed types, `[]` marks a list.  Types in lower case are plain values,
the others are objects; those without an entry here are accepted as any JSON object.
Source: Bot API reference 10.3, by way of contract.json (see derive_contract.py).
Checked by: test_contract.py, which compares every row with contract.json.
"""

from __future__ import annotations

METHODS_TEXT = """
answerCallbackQuery callback_query_id:string cache_time?:number show_alert?:boolean text?:string
  url?:string
deleteMessage chat_id:number|string message_id:number
deleteMessages chat_id:number|string message_ids:number[]
deleteMyCommands language_code?:string scope?:BotCommandScope
deleteWebhook drop_pending_updates?:boolean
editMessageCaption business_connection_id?:string caption?:string
  caption_entities?:MessageEntity[] chat_id?:number|string inline_message_id?:string
  message_id?:number parse_mode?:string reply_markup?:InlineKeyboardMarkup
  show_caption_above_media?:boolean
editMessageMedia media:InputMedia business_connection_id?:string chat_id?:number|string
  inline_message_id?:string message_id?:number reply_markup?:InlineKeyboardMarkup
editMessageReplyMarkup business_connection_id?:string chat_id?:number|string
  inline_message_id?:string message_id?:number reply_markup?:InlineKeyboardMarkup
editMessageText business_connection_id?:string chat_id?:number|string entities?:MessageEntity[]
  inline_message_id?:string link_preview_options?:LinkPreviewOptions message_id?:number
  parse_mode?:string reply_markup?:InlineKeyboardMarkup rich_message?:InputRichMessage
  text?:string
getChat chat_id:number|string
getChatAdministrators chat_id:number|string return_bots?:boolean
getChatMember chat_id:number|string user_id:number
getChatMemberCount chat_id:number|string
getFile file_id:string
getMe
getMyCommands language_code?:string scope?:BotCommandScope
getMyDescription language_code?:string
getMyName language_code?:string
getMyShortDescription language_code?:string
getUpdates allowed_updates?:string[] limit?:number offset?:number timeout?:number
getWebhookInfo
leaveChat chat_id:number|string
sendChatAction action:SendChatActionAction chat_id:number|string business_connection_id?:string
  message_thread_id?:number
sendDocument chat_id:number|string document:InputFile|string allow_paid_broadcast?:boolean
  business_connection_id?:string caption?:string caption_entities?:MessageEntity[]
  direct_messages_topic_id?:number disable_content_type_detection?:boolean
  disable_notification?:boolean ephemeral_message_parameters?:EphemeralMessageParameters
  message_effect_id?:string message_thread_id?:number parse_mode?:string
  protect_content?:boolean
  reply_markup?:ForceReply|InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove
  reply_parameters?:ReplyParameters suggested_post_parameters?:SuggestedPostParameters
  thumbnail?:InputFile|string
sendMediaGroup chat_id:number|string
  media:InputMediaAudio[]|InputMediaDocument[]|InputMediaLivePhoto[]|InputMediaPhoto[]|InputMediaVideo[]
  allow_paid_broadcast?:boolean business_connection_id?:string direct_messages_topic_id?:number
  disable_notification?:boolean message_effect_id?:string message_thread_id?:number
  protect_content?:boolean reply_parameters?:ReplyParameters
sendMessage chat_id:number|string text:string allow_paid_broadcast?:boolean
  business_connection_id?:string direct_messages_topic_id?:number disable_notification?:boolean
  entities?:MessageEntity[] ephemeral_message_parameters?:EphemeralMessageParameters
  link_preview_options?:LinkPreviewOptions message_effect_id?:string message_thread_id?:number
  parse_mode?:string protect_content?:boolean
  reply_markup?:ForceReply|InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove
  reply_parameters?:ReplyParameters suggested_post_parameters?:SuggestedPostParameters
sendPhoto chat_id:number|string photo:InputFile|string allow_paid_broadcast?:boolean
  business_connection_id?:string caption?:string caption_entities?:MessageEntity[]
  direct_messages_topic_id?:number disable_notification?:boolean
  ephemeral_message_parameters?:EphemeralMessageParameters has_spoiler?:boolean
  message_effect_id?:string message_thread_id?:number parse_mode?:string
  protect_content?:boolean
  reply_markup?:ForceReply|InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove
  reply_parameters?:ReplyParameters show_caption_above_media?:boolean
  suggested_post_parameters?:SuggestedPostParameters
sendPoll chat_id:number|string options:InputPollOption[] question:string
  allow_adding_options?:boolean allow_paid_broadcast?:boolean allows_multiple_answers?:boolean
  allows_revoting?:boolean business_connection_id?:string close_date?:number
  correct_option_ids?:number[] country_codes?:string[] description?:string
  description_entities?:MessageEntity[] description_parse_mode?:string
  disable_notification?:boolean explanation?:string explanation_entities?:MessageEntity[]
  explanation_media?:InputPollMedia explanation_parse_mode?:string
  hide_results_until_closes?:boolean is_anonymous?:boolean is_closed?:boolean
  media?:InputPollMedia members_only?:boolean message_effect_id?:string message_thread_id?:number
  open_period?:number protect_content?:boolean question_entities?:MessageEntity[]
  question_parse_mode?:string
  reply_markup?:ForceReply|InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove
  reply_parameters?:ReplyParameters shuffle_options?:boolean type?:SendPollType
setMessageReaction chat_id:number|string message_id:number is_big?:boolean
  reaction?:ReactionType[]
setMyCommands commands:BotCommand[] language_code?:string scope?:BotCommandScope
setMyDescription description?:string language_code?:string
setMyName language_code?:string name?:string
setMyShortDescription language_code?:string short_description?:string
setWebhook url:string allowed_updates?:string[] certificate?:InputFile
  drop_pending_updates?:boolean ip_address?:string max_connections?:number secret_token?:string
stopPoll chat_id:number|string message_id:number business_connection_id?:string
  reply_markup?:InlineKeyboardMarkup
"""

OBJECTS_TEXT = """
BotCommand command:string description:string is_ephemeral?:boolean
BotCommandScopeAllChatAdministrators type:string
BotCommandScopeAllGroupChats type:string
BotCommandScopeAllPrivateChats type:string
BotCommandScopeChat chat_id:number|string type:string
BotCommandScopeChatAdministrators chat_id:number|string type:string
BotCommandScopeChatMember chat_id:number|string type:string user_id:number
BotCommandScopeDefault type:string
CopyTextButton text:string
ForceReply force_reply:boolean input_field_placeholder?:string selective?:boolean
InlineKeyboardButton text:string callback_data?:string callback_game?:CallbackGame
  copy_text?:CopyTextButton disabled?:DisabledButton icon_custom_emoji_id?:string
  login_url?:LoginUrl pay?:boolean style?:InlineKeyboardButtonStyle switch_inline_query?:string
  switch_inline_query_chosen_chat?:SwitchInlineQueryChosenChat
  switch_inline_query_current_chat?:string url?:string web_app?:WebAppInfo
InlineKeyboardMarkup inline_keyboard:InlineKeyboardButton[][] force_reply?:boolean
InputMediaDocument media:InputFile|string type:string caption?:string
  caption_entities?:MessageEntity[] disable_content_type_detection?:boolean parse_mode?:string
  thumbnail?:InputFile|string
InputMediaPhoto media:InputFile|string type:string caption?:string
  caption_entities?:MessageEntity[] has_spoiler?:boolean parse_mode?:string
  show_caption_above_media?:boolean
InputPollOption text:string media?:InputPollOptionMedia text_entities?:MessageEntity[]
  text_parse_mode?:string
KeyboardButton text:string icon_custom_emoji_id?:string request_chat?:KeyboardButtonRequestChat
  request_contact?:boolean request_location?:boolean
  request_managed_bot?:KeyboardButtonRequestManagedBot request_poll?:KeyboardButtonPollType
  request_users?:KeyboardButtonRequestUsers style?:KeyboardButtonStyle web_app?:WebAppInfo
LinkPreviewOptions is_disabled?:boolean prefer_large_media?:boolean prefer_small_media?:boolean
  show_above_text?:boolean url?:string
MessageEntity length:number offset:number type:MessageEntityType custom_emoji_id?:string
  date_time_format?:string language?:string unix_time?:number url?:string user?:User
ReactionTypeEmoji emoji:ReactionTypeEmojiEmoji type:string
ReplyKeyboardMarkup keyboard:KeyboardButton[][] force_reply?:boolean
  input_field_placeholder?:string is_persistent?:boolean one_time_keyboard?:boolean
  resize_keyboard?:boolean selective?:boolean
ReplyKeyboardRemove remove_keyboard:boolean selective?:boolean
ReplyParameters allow_sending_without_reply?:boolean chat_id?:number|string
  checklist_task_id?:number ephemeral_message_id?:number message_id?:number
  poll_option_id?:string quote?:string quote_entities?:MessageEntity[] quote_parse_mode?:string
  quote_position?:number
"""

UPDATE_KINDS = frozenset(
    [
        "business_connection",
        "business_message",
        "callback_query",
        "channel_post",
        "chat_boost",
        "chat_join_request",
        "chat_member",
        "chosen_inline_result",
        "deleted_business_messages",
        "edited_business_message",
        "edited_channel_post",
        "edited_message",
        "guest_message",
        "inline_query",
        "managed_bot",
        "message",
        "message_reaction",
        "message_reaction_count",
        "my_chat_member",
        "poll",
        "poll_answer",
        "pre_checkout_query",
        "purchased_paid_media",
        "removed_chat_boost",
        "shipping_query",
        "stopped_message_generation",
        "subscription",
    ]
)
QUIET_KINDS = frozenset({"chat_member", "message_reaction", "message_reaction_count"})
"""Kinds left out unless asked for by name (getUpdates, allowed_updates)."""
