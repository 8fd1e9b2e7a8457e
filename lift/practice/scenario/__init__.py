"""What is asked: one client, one service, and the file it is read from."""
