"""What a notebook and a class see."""
