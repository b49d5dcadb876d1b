"""The manager's desk: supplier's price lists, sales lists, exports and imports of the whole book."""
