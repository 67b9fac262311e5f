"""The dialects, one small module each, found through the entry points ``polypocket.posts``."""
