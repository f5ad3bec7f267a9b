"""ordering"""
