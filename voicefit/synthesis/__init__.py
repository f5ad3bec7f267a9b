"""synthesis"""
