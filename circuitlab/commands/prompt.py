"""The way from the kernel to the browser without a wait for company.

A socket may hold back a short message until the one before it is acknowledged,
and the other end may take 40 ms over that. A bench sends several short messages
for every move of a slider, so one move in ten would reach the screen late.
"""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """JupyterLab's own connection to a kernel, with every message sent at once (RFC 896 switched off)."""

    def connect(self):
        """Open the connection as JupyterLab does; sockets that know no delay are left as they are."""
        if self.websocket_handler.ws_connection is not None:
            self.websocket_handler.set_nodelay(True)
        return super().connect()
