"""Practice cards, explorers and their pictures, from models to a real browser."""
