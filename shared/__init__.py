"""Data that ships, to be copied and edited: mills in ``machines/``, materials in ``materials.toml``."""
