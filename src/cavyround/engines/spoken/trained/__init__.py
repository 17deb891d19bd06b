"""The trained reading: a small network that weighs the whole sentence, beside the rules' answer.

The rules know words; what a word is said of, and whether it is said of this animal now, hangs on
the sentence. The network sees the words and what the rules made of each, and answers for each word
which finding, care or blanket word it carries, where, how it stands, and of whom it is said.
"""
