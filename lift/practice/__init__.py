"""What a stylist asks: window, tone direction, risk, cautions."""
