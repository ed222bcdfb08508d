"""The server over HTTP: routes, cookies, errors, the page and the stream."""
