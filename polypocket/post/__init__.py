"""From the neutral program to the text of a dialect."""

from polypocket.post.base import Post
from polypocket.post.found import post_named, posts

__all__ = ["Post", "post_named", "posts"]
