"""The rules and use cases of a show, without a server."""
