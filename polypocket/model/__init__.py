"""What a person writes: the job and the mill, read from TOML, checked, and held in mm and radians.

``files`` loads them; ``job`` and ``mill`` are what they mean; ``fits`` tells what cannot be, in a job alone
and on a mill; ``schema`` describes the files to editors. The modules are imported by name.
"""
