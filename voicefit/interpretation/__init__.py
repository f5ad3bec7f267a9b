"""interpretation"""
